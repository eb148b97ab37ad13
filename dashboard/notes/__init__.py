"""What people note next to the records: changes, targets, talks; TOML files of the folder."""
