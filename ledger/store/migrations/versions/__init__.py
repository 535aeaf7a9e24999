"""The steps, numbered without gaps; a step that was shipped is never changed."""
