"""Cases as CxF3: what stands where, and what has no place."""
