"""A second, independent implementation of one roll, for the tests only."""
