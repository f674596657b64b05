import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { encode } from 'uqr';
import type { Site } from '../../server/endpoints/site.ts';
import { Frame } from '../frame/frame.tsx';
import { useLoaded } from '../shop/use-loaded.ts';
import { Waiting } from '../shop/waiting.tsx';

/** Labels to print, one a gun; each opens its gun's page on a phone. */
export function LabelsScreen(): JSX.Element {
  const { data, fault } = useLoaded<Site>('/api/site');
  const [address, setAddress] = useState(location.origin);
  const base = address.trim().replace(/\/+$/, '');
  const usable = /^https?:\/\/[^\s/?#]+$/.test(base);
  const onlyHere = usable && /^(localhost|127\.|\[::1\])/.test(new URL(base).hostname);
  return (
    <Frame title="Labels" page="labels" wide>
      <p class="outside">
        <strong>
          Labels hang outside the booth and outside the classified area. No phone or tablet goes in: not to scan, not to
          log.
        </strong>
      </p>
      <div class="fields no-print">
        <label class="field">
          <span>Address of driftline as phones reach it</span>
          <input type="url" value={address} onInput={({ currentTarget }) => setAddress(currentTarget.value)} />
        </label>
      </div>
      {!usable && (
        <p class="fault" role="alert">
          Found “{address}”; expected http://HOST:PORT or https://HOST.
        </p>
      )}
      {onlyHere && (
        <p class="no-print thin">
          This address works on this machine only. Set the one that phones reach before you print (in the configuration:
          http.hosts and telling.address).
        </p>
      )}
      <p class="no-print row">
        <button type="button" class="button" disabled={!usable} onClick={() => print()}>
          Print
        </button>
      </p>
      <Waiting fault={fault} empty={data === null} />
      {data && usable && (
        <ul class="labels">
          {data.guns.map(({ id, name }) => (
            <li key={id} class="label">
              <Code text={`${base}/at-gun/${id}`} name={name} />
              <div>
                <p class="label-gun">{name}</p>
                <p class="label-id">
                  {data.name}, {id}
                </p>
                <p>State, changes and checks: scan.</p>
                <p class="label-outside">Hang outside booth and classified area. No phone or tablet goes in.</p>
              </div>
            </li>
          ))}
        </ul>
      )}
    </Frame>
  );
}

/** A QR code as one path. Source: ISO/IEC 18004; four modules of quiet zone, level M for scratches. */
function Code({ text, name }: { text: string; name: string }): JSX.Element {
  const { data, size } = encode(text, { ecc: 'M', border: 4 });
  let path = '';
  for (const [row, modules] of data.entries())
    for (const [column, dark] of modules.entries()) if (dark) path += `M${column} ${row}h1v1h-1z`;
  return (
    <svg
      class="code"
      viewBox={`0 0 ${size} ${size}`}
      role="img"
      aria-label={`QR code: ${name}, ${text}`}
      shape-rendering="crispEdges"
    >
      <rect width={size} height={size} fill="#fff" />
      <path d={path} fill="#000" />
    </svg>
  );
}
