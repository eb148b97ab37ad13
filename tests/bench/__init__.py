"""Long runs: error rates over many shops. Not part of make test."""
