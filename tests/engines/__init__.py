"""Real servers, workers and databases, started by the tests and killed by them."""
