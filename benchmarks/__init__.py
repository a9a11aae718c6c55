"""Measurements of the build; run them with `make bench`."""
