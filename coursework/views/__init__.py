"""Pages of the school, one module an object."""
