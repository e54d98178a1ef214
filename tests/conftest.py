"""What holds for every test: no property is judged by how long a slow or busy machine takes over it."""

from hypothesis import settings

settings.register_profile("sinewright", deadline=None)
settings.load_profile("sinewright")
