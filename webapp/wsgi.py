"""What a WSGI server is pointed at: `gunicorn webapp.wsgi:app`."""

from webapp import create_app

app = create_app()
