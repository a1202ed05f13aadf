"""The Clearance page: the verdict on each option, drawn to scale, and everything it rests on."""
