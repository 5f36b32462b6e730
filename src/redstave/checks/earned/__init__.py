"""Credits: what an entry has earned, found with its places like any fault."""
