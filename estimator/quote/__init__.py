"""What the patient will pay, when, and with what help."""
