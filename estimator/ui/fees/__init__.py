"""The Fees page: the schedule in force, edited; its versions, what a change moves, what options cost the practice."""
