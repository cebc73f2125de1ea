"""All situations: importing this module registers them."""

import rule_call_outs  # noqa: F401
import rule_centre  # noqa: F401
import rule_datums  # noqa: F401
import rule_details  # noqa: F401
import rule_dual  # noqa: F401
import rule_exploded  # noqa: F401
import rule_frames  # noqa: F401
import rule_labels  # noqa: F401
import rule_linework  # noqa: F401
import rule_links  # noqa: F401
import rule_notes  # noqa: F401
import rule_scheme  # noqa: F401
import rule_scheme_review  # noqa: F401
import rule_styles  # noqa: F401
import rule_tables  # noqa: F401
import rule_title  # noqa: F401
import rule_tolerances  # noqa: F401
import rule_values  # noqa: F401
import rule_views  # noqa: F401
import rule_written  # noqa: F401
