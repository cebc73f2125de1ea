"""The frozen values that pass from room to room."""
