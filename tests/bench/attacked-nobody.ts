import { createServer } from 'node:net';

// A listener that costs as little as one may: answers CONNECT and acknowledges, whatever comes, and keeps nothing. Beside it quiet stations show what an attacker takes
// of a machine that it shares with them, whomever it attacks. Tells its port; ends when its standard input does.

const CONNACK = Buffer.of(0x20, 2, 0, 0);
const PUBACK = Buffer.of(0x40, 2, 0, 1);
/** Of a packet that is the first of a connection and none that a CONNECT could be. */
const SHORTEST_CONNECT = 14;

createServer((socket) => {
  let first = true;
  socket.on('error', () => socket.destroy());
  socket.on('data', (chunk) => {
    if (first && chunk.length > 1 && chunk.length < SHORTEST_CONNECT) socket.destroy();
    else socket.write(first ? CONNACK : PUBACK);
    first = false;
  });
}).listen(0, '127.0.0.1', function (this: import('node:net').Server) {
  process.stdout.write(`${(this.address() as import('node:net').AddressInfo).port}\n`);
});
process.stdin.on('end', () => process.exit(0)).resume();
