"""The AWD advisory gateway: plot-by-plot irrigation advice for rice over SMS and USSD."""

__version__ = "0.1.0"
