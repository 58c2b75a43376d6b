"""What touches the world: devices, recognisers, files, clocks.

ONNX Runtime, from 1.29 on, keeps a device id and sends reports of the models it loads, unless this
variable is set before it is imported: nothing of a practice leaves this machine.
"""

import os

os.environ["ORT_DISABLE_TELEMETRY"] = "1"
