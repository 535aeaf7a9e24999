"""The pages, the command, and the setting-up that both start from."""
