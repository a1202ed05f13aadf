"""When the patient pays how much: milestones, instalments, and the annual percentage rate."""
