// A real SMTP server in a process of its own: says its port, then each message that it took, as one line of JSON.
import { SMTPServer } from 'smtp-server';

const failFirst = Number(process.argv[2] ?? 0);
let seen = 0;
const server = new SMTPServer({
  authOptional: true,
  disabledCommands: ['AUTH', 'STARTTLS'],
  onRcptTo({ address }, _session, done) {
    if (address.startsWith('nobody@')) return done(Object.assign(new Error('no such mailbox'), { responseCode: 550 }));
    done();
  },
  onData(stream, session, done) {
    let text = '';
    stream.setEncoding('utf8');
    stream.on('data', (part) => {
      text += part;
    });
    stream.on('end', () => {
      seen += 1;
      if (seen <= failFirst) return done(Object.assign(new Error('try later'), { responseCode: 451 }));
      const to = session.envelope.rcptTo.map(({ address }) => address);
      process.stdout.write(`${JSON.stringify({ from: session.envelope.mailFrom.address, to, text })}\n`);
      done();
    });
  },
});
server.on('error', (error) => {
  process.stderr.write(`${error.message}\n`);
});
server.listen(0, '127.0.0.1', () => {
  process.stdout.write(`${JSON.stringify({ port: server.server.address().port })}\n`);
});
