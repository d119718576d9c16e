"""From parts and sheets to a refereed plan of edge-to-edge cuts; knows nothing of what the parts are for."""
