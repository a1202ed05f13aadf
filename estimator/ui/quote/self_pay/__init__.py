"""The self-pay estimate on the Quote page: what it asks for, what it lacks, its kept versions."""
