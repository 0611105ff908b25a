"""The moving figure as glTF."""
