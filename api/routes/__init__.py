"""One file per resource."""
