"""Published least heights as strips beside the measured room."""
