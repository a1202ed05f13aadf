"""What a check leads on to, found when it is asked for: what to measure next, an implant lost, the plane moved."""
