"""Numbers and entries of the base documents. Everything in them is invented; nothing here uses shadefmt."""
