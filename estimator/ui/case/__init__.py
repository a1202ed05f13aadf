"""The Case page: all that is asked about the patient and the jaws."""
