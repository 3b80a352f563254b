"""Marks and figures to bytes: same input, same bytes. Exporters translate and decide nothing."""
