"""What was offered to a patient, as one document, and the one statement of all that is told of it."""
