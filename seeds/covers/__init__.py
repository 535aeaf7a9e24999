"""Cover pictures of invented comic books, drawn by code: lettering, compositions, inks, paper and faults."""
