"""Draw pictures of an assembly without a window: stills, contact sheets, and frames for the window.

Frozen values go in, images come out. Nothing here knows Qt, and nothing is loaded until it is named:
import `draw_picture` from `trainer.stage.picture`, `draw_contact_sheet` from `trainer.stage.sheet`,
`Stage` from `trainer.stage.scene`, `Look` from `trainer.stage.look`.
"""
