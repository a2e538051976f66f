"""From where on a value is odd, by how many values its row has; written by tools/maintain/write_odd_rates.py.

Of rows of normal values without anything odd in them, ``by_chance_percent`` show at least one beyond ``limit``, and
``beyond_3_5_percent`` one beyond the 3.5 of Iglewicz and Hoaglin. Never edited by hand.
"""

from typing import NamedTuple


class OddRate(NamedTuple):
    """The limit of the modified z-score for rows of so many values, and the chance measured for it."""

    values: int
    limit: float
    by_chance_percent: float
    beyond_3_5_percent: float


ODD_RATES = (
    OddRate(8, 4.96, 4.88, 13.60),
    OddRate(9, 5.11, 4.89, 14.79),
    OddRate(10, 4.61, 4.88, 12.53),
    OddRate(11, 4.69, 4.89, 13.36),
    OddRate(12, 4.39, 4.88, 11.71),
    OddRate(13, 4.47, 4.86, 12.35),
    OddRate(14, 4.25, 4.87, 11.00),
    OddRate(15, 4.30, 4.89, 11.53),
    OddRate(16, 4.15, 4.85, 10.52),
    OddRate(17, 4.18, 4.84, 10.88),
    OddRate(18, 4.07, 4.88, 10.21),
    OddRate(19, 4.11, 4.85, 10.53),
    OddRate(20, 4.02, 4.89, 10.00),
    OddRate(21, 4.04, 4.87, 10.17),
    OddRate(22, 3.96, 4.88, 9.55),
    OddRate(23, 3.99, 4.89, 9.94),
    OddRate(24, 3.93, 4.87, 9.40),
    OddRate(25, 3.96, 4.83, 9.67),
    OddRate(26, 3.91, 4.84, 9.19),
    OddRate(27, 3.92, 4.89, 9.47),
    OddRate(28, 3.87, 4.87, 9.01),
    OddRate(29, 3.89, 4.88, 9.29),
    OddRate(30, 3.86, 4.84, 8.90),
    OddRate(31, 3.88, 4.88, 9.25),
    OddRate(32, 3.85, 4.84, 8.85),
    OddRate(33, 3.86, 4.84, 9.09),
    OddRate(34, 3.83, 4.84, 8.83),
    OddRate(35, 3.84, 4.87, 9.01),
    OddRate(36, 3.82, 4.88, 8.78),
    OddRate(37, 3.82, 4.88, 8.87),
    OddRate(38, 3.81, 4.80, 8.66),
    OddRate(39, 3.82, 4.85, 8.90),
    OddRate(40, 3.80, 4.89, 8.72),
    OddRate(41, 3.81, 4.81, 8.80),
    OddRate(42, 3.79, 4.82, 8.66),
    OddRate(43, 3.80, 4.84, 8.79),
    OddRate(44, 3.78, 4.90, 8.68),
    OddRate(45, 3.80, 4.81, 8.81),
    OddRate(46, 3.78, 4.82, 8.62),
    OddRate(47, 3.78, 4.86, 8.69),
    OddRate(48, 3.77, 4.84, 8.58),
    OddRate(49, 3.78, 4.88, 8.77),
    OddRate(50, 3.77, 4.89, 8.65),
    OddRate(51, 3.78, 4.83, 8.77),
    OddRate(52, 3.77, 4.85, 8.67),
    OddRate(53, 3.78, 4.80, 8.77),
    OddRate(54, 3.76, 4.85, 8.63),
    OddRate(55, 3.77, 4.87, 8.80),
    OddRate(56, 3.76, 4.85, 8.66),
    OddRate(57, 3.77, 4.79, 8.81),
    OddRate(58, 3.75, 4.85, 8.62),
    OddRate(59, 3.77, 4.84, 8.84),
    OddRate(60, 3.76, 4.80, 8.73),
    OddRate(70, 3.75, 4.89, 8.92),
    OddRate(80, 3.76, 4.79, 9.21),
    OddRate(100, 3.76, 4.84, 9.65),
    OddRate(150, 3.79, 4.86, 11.32),
    OddRate(200, 3.83, 4.74, 13.11),
    OddRate(300, 3.88, 4.82, 16.72),
    OddRate(500, 3.97, 4.82, 23.79),
    OddRate(1000, 4.10, 4.88, 38.85),
)
