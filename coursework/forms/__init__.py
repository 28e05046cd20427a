"""Forms of the school's pages, one module an object."""
