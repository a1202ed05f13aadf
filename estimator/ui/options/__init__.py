"""The Options page: the options side by side, what comes later, both jaws together, other assumptions tried."""
