"""Write-back into the person's own file: values change, and every other byte stays as it was."""
