"""One viewer of the dashboard: Streamlit's own messages over a websocket, without a browser."""

import asyncio
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass

import websockets
from streamlit.proto.BackMsg_pb2 import BackMsg
from streamlit.proto.ClientState_pb2 import ClientState
from streamlit.proto.ForwardMsg_pb2 import ForwardMsg

PATIENCE_S = 120
FIRST = "month"  # the page without an address of its own
FINISHED = (ForwardMsg.FINISHED_SUCCESSFULLY, ForwardMsg.FINISHED_FRAGMENT_RUN_SUCCESSFULLY)


@dataclass(frozen=True)
class Run:
    """One run of a page: how long it took, and what went wrong, if anything."""

    page: str
    seconds: float
    error: str | None


class Viewer:
    """A session of the dashboard; every run is waited for to its end."""

    def __init__(self, socket: websockets.ClientConnection, query: str) -> None:
        self._socket, self._query = socket, query
        self._follow: str | None = None  # the part of the page that looks for a new version

    async def open(self, page: str) -> Run:
        """Open a page and wait until its last element came."""
        return await self._run(page, self._state(page))

    async def follow(self, page: str) -> Run | None:
        """Ask whether there is a new version, as every open page does."""
        if self._follow is None:
            return None
        state = self._state(page, fragment_id=self._follow, is_auto_rerun=True)
        return await self._run(page, state)

    def _state(self, page: str, **more: object) -> ClientState:
        address = "" if page == FIRST else page
        return ClientState(page_name=address, query_string=self._query, **more)

    async def _run(self, page: str, state: ClientState) -> Run:
        started = time.monotonic()
        try:
            await self._socket.send(BackMsg(rerun_script=state).SerializeToString())
            async with asyncio.timeout(PATIENCE_S):
                error = await self._until_finished()
        except TimeoutError:
            error = f"not finished within {PATIENCE_S} s"
        return Run(page, time.monotonic() - started, error)

    async def _until_finished(self) -> str | None:
        """Read messages up to the end of the run; return the first thing that went wrong."""
        error = None
        while True:
            message = ForwardMsg.FromString(await self._socket.recv())
            kind = message.WhichOneof("type")
            if kind == "auto_rerun":
                self._follow = message.auto_rerun.fragment_id
            elif kind == "page_not_found":
                error = "page not found"
            elif kind == "delta" and message.delta.new_element.WhichOneof("type") == "exception":
                error = message.delta.new_element.exception.type or "exception"
            elif kind == "script_finished" and message.script_finished in FINISHED:
                return error  # one that ended early, for a new version, goes on
            elif kind == "script_finished" and error is None:
                error = _error_of(message.script_finished)


def _error_of(status: int) -> str | None:
    is_early = status == ForwardMsg.FINISHED_EARLY_FOR_RERUN
    return None if is_early else ForwardMsg.ScriptFinishedStatus.Name(status)


@asynccontextmanager
async def viewing(url: str, query: str = "") -> AsyncIterator[Viewer]:
    """Connect one viewer for the length of the block; `query` is the filters of its address."""
    address = url.replace("http", "ws", 1) + "/_stcore/stream"
    async with websockets.connect(address, subprotocols=["streamlit"], max_size=None) as socket:
        yield Viewer(socket, query)
