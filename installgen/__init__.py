"""One vessel's marine-diesel installation, written once as YAML, becomes a manual kept true."""

__version__ = "0.1.0"
