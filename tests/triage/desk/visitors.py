"""Somebody at a browser that runs no script, for tests: pages as text, forms with their hidden fields."""

from __future__ import annotations

import re
from typing import Any

from starlette.testclient import TestClient

from tests.conftest import PASSWORD
from triage.desk.app import build
from triage.desk.settings import Settings
from triage.review.acts import Bench

FORM_TOKEN = re.compile(r'name="form_token" value="([0-9a-f]+)"')


class Visitor:
    """Somebody at a browser that runs no script: pages as text, forms with their hidden fields."""

    def __init__(self, bench: Bench, settings: Settings) -> None:
        self.client = TestClient(build(bench, settings), base_url="http://127.0.0.1", follow_redirects=False)

    def come_in(self, role: str) -> Visitor:
        """Sign in as the person of a role."""
        page = self.client.get("/sign-in")
        fields = {"form_token": token_of(page.text), "name": f"the {role}", "password": PASSWORD}
        answer = self.client.post("/sign-in", data=fields)
        assert answer.status_code == 303, answer.text
        return self

    def get(self, path: str) -> str:
        """The text of a page that must be there."""
        answer = self.client.get(path)
        assert answer.status_code == 200, (path, answer.status_code)
        return answer.text

    def post(self, path: str, page: str = "/wall", **fields: Any) -> Any:
        """Post a form with the token of a page that this visitor has seen."""
        return self.client.post(path, data={"form_token": token_of(self.get(page)), **fields})


def token_of(text: str) -> str:
    """The token in a page's forms."""
    found = FORM_TOKEN.search(text)
    assert found, text[:2000]
    return found[1]
