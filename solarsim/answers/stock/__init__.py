"""A folder of vans, one row each."""
