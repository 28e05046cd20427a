"""What is sent to the site is limited in size before any of it is stored."""

from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.core.files.uploadhandler import FileUploadHandler


class LimitedUploads(FileUploadHandler):
    """Refuses a request that is too long by its own word, or turns out to be: answered with 400.

    Stands before the handlers that store. Each form says its own, smaller limit in a sentence.
    """

    def handle_raw_input(self, input_data, META, content_length, boundary, encoding=None):
        self.read = 0
        self._refuse_above(content_length or 0)

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        self.read += len(raw_data)
        self._refuse_above(self.read)
        return raw_data

    def file_complete(self, file_size: int) -> None:
        return None

    @staticmethod
    def _refuse_above(length: int) -> None:
        if length > settings.LARGEST_REQUEST_BYTES:
            raise RequestDataTooBig
