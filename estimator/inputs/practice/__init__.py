"""What the practice says of itself: settings, chair cost, closed days, guarantees, logo, experience."""
