"""From a permitted footing plan to stakes in the ground."""

__version__ = "0.1.0"
