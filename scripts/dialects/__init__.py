"""Parts of scripts/make_dialect_tables.py."""
