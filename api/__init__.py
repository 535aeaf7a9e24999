"""The REST service: parse, call one use case or read, answer."""
