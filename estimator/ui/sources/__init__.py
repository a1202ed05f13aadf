"""The Sources page: figures, who confirmed them, and what the practice has counted itself."""
