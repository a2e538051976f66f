"""What we ask of the machine: names of files, reading, git, writing beside, all cores; it knows
nothing of baking.
"""
