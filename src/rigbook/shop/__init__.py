"""What a shop does with an assessment: quotes it, tries its switches out, inspects the finished vehicle. Pure."""
