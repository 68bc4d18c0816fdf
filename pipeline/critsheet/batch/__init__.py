"""Many recordings at once: found in a folder tree, made into sheets one by one or by several workers."""

from critsheet.batch.finding import Recording, find
from critsheet.batch.job import Job, Options, Result, make_one
from critsheet.batch.names_file import Named, read_names
from critsheet.batch.running import Batch

__all__ = ["Batch", "Job", "Named", "Options", "Recording", "Result", "find", "make_one", "read_names"]
