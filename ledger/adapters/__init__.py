"""The outside, one library each: pictures, keys, the clock."""
