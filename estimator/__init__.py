"""Overdenture Options: what an edentulous jaw has room for, what each option costs, and what upkeep follows."""
