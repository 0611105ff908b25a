"""Pictures of the model: cameras, the body's surface, the stage, and the marks drawn over a picture.

Nothing is imported here: ``turnstill.model.films.camera`` needs numpy only, and drawing libraries load when the
first picture is asked for.
"""
