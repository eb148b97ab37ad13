"""A load that runs in the background of the pages: its step, how it ended, and a way to stop it."""

import shutil
import tempfile
import threading
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from dashboard.loading.worker import UNSURE, LoadMessage, LoadRequest
from etl.cancellation import describe_stop
from etl.folder.publish import PublishError, only_writer
from etl.folder.versions import pointed
from etl.mapping.mapping import Mapping
from etl.worker_process import Worker, WorkerDied

ANSWER = "dashboard.loading.worker:answer"


class RunningLoad:
    """A load, or a check of one, in a process of its own.

    `step` is what it does just now; `end` is None until it has ended. What it leaves on the way is
    cleared away. It goes on when no page shows it, and ends with the server.
    """

    def __init__(
        self,
        paths: Sequence[Path],
        folder: Path,
        mapping: Mapping | None,
        keep_as: Path | None,
        settings: dict[str, str],
        is_check: bool,
        decisions: dict[str, object] | None = None,
    ) -> None:
        self.is_check, self.is_stopping = is_check, False
        self.step = "starting"
        self.end: LoadMessage | None = None
        self._folder, self._before = folder, pointed(folder)
        self._scratch = tempfile.TemporaryDirectory(prefix="ohmhours-", ignore_cleanup_errors=True)
        copies = tuple(self._copied(number, path) for number, path in enumerate(paths, start=1))
        request = LoadRequest(
            copies, folder, Path(self._scratch.name), mapping, keep_as, settings, is_check,
            decisions or {},
        )  # fmt: skip
        self._worker = Worker(ANSWER)
        self._listener = threading.Thread(target=self._listen, args=(request,), daemon=True)
        self._listener.start()

    def _copied(self, number: int, path: Path) -> Path:
        """Copy an upload to a place of its own: two of one name are two."""
        place = Path(self._scratch.name, f"upload-{number}")
        place.mkdir()
        return Path(shutil.copy(path, place))

    def stop(self) -> None:
        """Ask the load to stop; it ends within seconds, by force if need be."""
        self.is_stopping = True
        self._worker.stop()

    def wait(self, seconds: float) -> bool:
        """Wait until the load has ended, at most so long; say whether it has."""
        self._listener.join(seconds)
        return self.end is not None

    def _listen(self, request: LoadRequest) -> None:
        end: LoadMessage | None = None
        with self._worker, self._scratch:
            self._worker.send(request)
            try:
                while end is None:
                    message: LoadMessage = self._worker.receive()
                    self.step, end = message.step or self.step, None if message.step else message
            except WorkerDied as death:
                end = self._cut_off(death)
        self.end = end

    def _cut_off(self, death: WorkerDied) -> LoadMessage:
        """Clear away what a load left that could not report its end; return what became of it."""
        with suppress(PublishError), only_writer(self._folder):
            pass  # whoever takes the lock removes what an ended load left
        if self.is_stopping:
            return LoadMessage(stopped=describe_stop(self._folder, self._before))
        return LoadMessage(problem=f"the load was cut off: {death}; {UNSURE}; load the files again")
