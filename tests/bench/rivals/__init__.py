"""Other ways to load the same files: a bare read, a pandas notebook, a polars pipeline."""
