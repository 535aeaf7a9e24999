"""The pages in a real browser: every page at three widths in both palettes, and a collector's whole way through them."""
