import { Fragment, type JSX } from 'preact';

/** A number with its sign or unit behind a space. */
const FIGURE = /([+−]?\d[\d.]* (?:%|h|kg|lb|bar|psi)(?![\w/]))/;

/** A text whose numbers stay on one line with their signs; the text itself keeps its plain spaces, so that it is found and copied as it reads. */
export function Unbroken({ text }: { readonly text: string }): JSX.Element {
  return (
    <>
      {text.split(FIGURE).map((piece, index) =>
        index % 2 === 1 ? (
          <span class="unbroken" key={`${index}`}>
            {piece}
          </span>
        ) : (
          <Fragment key={`${index}`}>{piece}</Fragment>
        ),
      )}
    </>
  );
}
