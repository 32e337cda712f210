"""Writing stock to files that the readers read back exactly."""
