"""What is drawn where, as data: pages and drawings made of neutral marks. Exporters only translate them."""
