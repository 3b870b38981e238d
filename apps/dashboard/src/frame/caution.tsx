import type { ReactNode } from 'react'
import styles from './caution.module.css'

/** A caution beside work that can hurt: short, and it defers to the local rules. */
export const Caution = ({ children }: { children: ReactNode }) => (
  <aside aria-label="Caution" className={styles.caution}>
    <svg aria-hidden="true" viewBox="0 0 24 24" width="28" height="28">
      <path d="M12 3 22 21H2Z" fill="none" stroke="currentColor" strokeWidth="2.2" strokeLinejoin="round" />
      <path d="M12 9v6m0 2v2" stroke="currentColor" strokeWidth="2.4" />
    </svg>
    <p>{children}</p>
  </aside>
)
