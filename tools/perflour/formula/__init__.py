"""What a formula file says, as frozen values with nothing computed; it touches the one file that
it is given.
"""
