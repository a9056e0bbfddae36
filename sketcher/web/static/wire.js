// The wire to the sketch: one turn at a time, answered once it is shown; it comes back by itself when the sketch does.

const listeners = { turn: () => {}, ended: () => {}, begun: () => {} };
let socket = null;

export function send(message) {
  if (socket?.readyState === WebSocket.OPEN) socket.send(JSON.stringify(message));
}

// A turn is shown once the screen has been drawn anew; a page that is hidden has no screen to wait for.
const onScreen = () => (document.hidden ? Promise.resolve() : new Promise((shown) => requestAnimationFrame(shown)));

function connect() {
  socket = new WebSocket(`ws://${location.host}/wire`);
  socket.binaryType = "arraybuffer";
  socket.onopen = () => listeners.begun();
  socket.onmessage = async ({ data }) => {
    const length = new DataView(data).getUint32(0, true);
    const head = JSON.parse(new TextDecoder().decode(new Uint8Array(data, 4, length)));
    const picture = head.picture === null ? null : new Blob([new Uint8Array(data, 4 + length)], { type: "image/jpeg" });
    try {
      await listeners.turn(head, picture);
    } finally {
      await onScreen();
      send({ do: "shown" });
    }
  };
  socket.onclose = () => {
    listeners.ended();
    setTimeout(connect, 1000);
  };
}

export function begin(handlers) {
  Object.assign(listeners, handlers);
  connect();
}
