"""What holds for every test."""

import pytest


@pytest.fixture(autouse=True, scope="session")
def apart_from_the_user(tmp_path_factory: pytest.TempPathFactory):
    """Results kept by earlier runs stay out of the tests, and theirs out of the user's folder (XDG Base Directory)."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield
