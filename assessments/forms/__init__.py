"""Forms of results: what each method and each check asks for, and nothing else."""
