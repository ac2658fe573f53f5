"""The list of a folder of vans."""
