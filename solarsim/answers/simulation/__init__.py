"""A question's runs through the designs."""
