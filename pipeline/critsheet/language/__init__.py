"""Language: what was said, cut into remarks with their function and everything found in them."""

from critsheet.language.components import read
from critsheet.language.remarks import Remark

__all__ = ["Remark", "read"]
