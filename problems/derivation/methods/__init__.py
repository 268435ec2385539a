"""The ways a walk can be made: one file each, found by ``registry``."""
