"""At the table: the screen that is turned to the patient."""
