"""Weather files of every format become hourly series."""
