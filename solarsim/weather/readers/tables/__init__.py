"""Tables of text, shared by weather files and battery logs."""
