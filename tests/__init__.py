"""The tests of Borewright, by what they are held against."""
