"""The workbench: routes and pages."""
