"""Pages of attempts, one module an object."""
