"""What comes later as pictures: calendars, and chances as cells."""
