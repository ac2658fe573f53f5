"""Several stops in order, with one bank through all of them."""
