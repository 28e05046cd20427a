from reportlab import rl_config

# Before any shape is made: reportlab otherwise checks every attribute that is set on one, a tenth
# of the time that a packet takes.
rl_config.shapeChecking = 0
