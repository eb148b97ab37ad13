"""Long runs: error rates over many shops, and speed beside a bare read, pandas and polars."""
