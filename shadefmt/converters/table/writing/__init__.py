"""Cases into tables by the mapping that reads them."""
