"""
A digest and the address of a time-stamp authority > its token (RFC 3161), or a plain refusal; one request each.

Over http.client and not a library for the web: no redirect is followed, no proxy of the environment asked, and what
leaves the clinic is a digest.
"""

from __future__ import annotations

import asyncio
import http.client
from urllib.parse import urlsplit

from asn1crypto import tsp
from pyhanko.sign.timestamps import TimeStamper

from docgen.problem import say
from docgen.signing.keys import refusal

LARGEST = 1 << 18
"""Bytes of an answer; a token with its certificates has some thousand."""

TYPES = {"query": "application/timestamp-query", "reply": "application/timestamp-reply"}


class Authority(TimeStamper):
    """A time-stamp authority over HTTP or HTTPS."""

    def __init__(self, url: str, seconds: float) -> None:
        """
        Take the address and the time-out in seconds.

        Errors: Refused with authority-address.
        """
        super().__init__(include_nonce=True)  # type: ignore[no-untyped-call] # pyHanko types its classes in part
        parts = urlsplit(url)
        if parts.scheme not in ("http", "https") or not parts.hostname or parts.username or parts.password:
            fix = say("write an address such as https://tsa.example.org/tsr, without name and password")
            raise refusal("authority-address", say("the address of the time-stamp authority cannot be used"), fix)
        self._parts, self._seconds = parts, seconds

    async def async_request_tsa_response(self, req: tsp.TimeStampReq) -> tsp.TimeStampResp:
        """Send one request. Errors: Refused with authority-unreachable or authority-refused."""
        return await asyncio.to_thread(self._ask, req.dump())

    def _ask(self, query: bytes) -> tsp.TimeStampResp:
        parts = self._parts
        kind = http.client.HTTPSConnection if parts.scheme == "https" else http.client.HTTPConnection
        connection = kind(parts.hostname or "", parts.port, timeout=self._seconds)
        path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
        try:
            connection.request("POST", path, query, {"Content-Type": TYPES["query"], "Accept": TYPES["reply"]})
            with connection.getresponse() as answer:
                content = answer.read(LARGEST + 1)
        except (OSError, http.client.HTTPException) as error:
            what = say("the time-stamp authority does not answer")
            fix = say("look at the network and at the address, or sign without time stamp (level B-B)")
            raise refusal("authority-unreachable", what, fix) from error
        finally:
            connection.close()
        if answer.status != http.client.OK or answer.getheader("Content-Type", "") != TYPES["reply"]:
            raise refusal("authority-refused", say("the time-stamp authority gave no time stamp"), _ASK)
        try:
            reply = tsp.TimeStampResp.load(content, strict=True)
            granted = reply["status"]["status"].native in ("granted", "granted_with_mods")
        except (ValueError, KeyError, TypeError) as error:
            raise refusal(
                "authority-refused", say("the answer of the time-stamp authority is damaged"), _ASK
            ) from error
        if not granted:
            raise refusal("authority-refused", say("the time-stamp authority gave no time stamp"), _ASK)
        return reply


_ASK = say("ask the authority, or sign without time stamp (level B-B)")
